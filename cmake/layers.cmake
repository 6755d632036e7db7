# From the ground up; a layer may use those named behind BELOW and theirs.
layer(base LIBRARIES m)
layer(market BELOW base LIBRARIES PkgConfig::ICU)
layer(demo BELOW market)
layer(cli BELOW market demo)
