M104 T0 S0
M104 T1 S0
M104 T2 S0
M104 T3 S0
M140 S0
M83
G1 E-1 F2700
G90
{{# part.top + 9 <= reach.top }}
G0 Z{{ part.top + 9 }} F1200
G0 X0 Y-20 F15000
{{/}}
M106 S0
M84
