/* What orders cost, of a setup or of an instrument. */
#ifndef RUSHLIGHT_MARKET_COSTS_H
#define RUSHLIGHT_MARKET_COSTS_H

/* None below 0; 0 is none. */
struct costs {
    double spread;               /* price */
    double slippage;             /* price, on every order but targets */
    double commission_per_unit;  /* money, each side */
    double commission_percent;   /* of the fill's size, each side */
    double commission_per_trade; /* money, once; only where a size is known */
    double financing_percent_year;
};

#endif
