<! note lesser(stock-top + 12, reach.top) as up !>
M82
G92 E0
G1 E-1.7 F2400
G90
M104 T0 S0
M104 T1 S0
M140 S0
G1 Z<:up:> F960
<! provided up > stock-top + 1 !>
G1 X0 Y106 F9600
<! thus far !>
M106 S0
M84
