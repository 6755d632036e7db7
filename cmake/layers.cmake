# From the ground up; a layer may use those named behind BELOW and theirs.
layer(base LIBRARIES m)
layer(market BELOW base LIBRARIES PkgConfig::ICU)
layer(measures BELOW market)
layer(candles BELOW measures)
layer(structure BELOW candles)
layer(demo BELOW market)
layer(evidence BELOW structure LIBRARIES PkgConfig::GSL OpenMP::OpenMP_C)
layer(cli BELOW evidence demo)
