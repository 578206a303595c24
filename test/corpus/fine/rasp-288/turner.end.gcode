M104 S0 M140 S0 M107
M83 G1 E-1.4 F2400
{{# part.top + 5 <= reach.top }}
G90 G1 Z{{ part.top + 5 }} F1000
G1 X-15 Y270 F12000
{{/}}
M84
