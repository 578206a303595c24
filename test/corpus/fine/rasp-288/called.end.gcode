M83
G1 E-1.2 F2400
M98 P"/routines/park-and-cool.g"   ; lifts, parks behind the bed, turns off both heaters and the fan
M84
