G90
M82
G92 E0
G1 E-1.6 F2100
M413 S0
M104 S0
M140 S0
{{# part.top + 8 <= reach.top }}
G1 Z{{ part.top + 8 }} F900
G1 X0 Y226 F8400
{{/}}
M106 S0
M84
