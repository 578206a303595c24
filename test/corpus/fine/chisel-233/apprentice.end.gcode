M104 T0 S0
M104 T1 S0
M140 S0
M107
M83
G1 E-1.5 F2400
G90
<! provided stock-top + 8 <= reach.top !>
G1 Z<: stock-top + 8 :> F960
G1 X-118 Y108 F9600
<! thus far !>
M84
