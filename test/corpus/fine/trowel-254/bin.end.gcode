G90
M82
G92 E0
G1 E-1.4 F2400
M140 S0
M107
{{# part.top + 10 <= reach.top }}
G1 Z{{ part.top + 10 }} F840
G1 X272 Y-4 F10800
G1 E8 F200             ; what cooks in the tip goes into the bin
G1 E4 F2400
{{/}}
M104 S0
M84 E
