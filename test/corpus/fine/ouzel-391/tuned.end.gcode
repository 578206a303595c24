M83
G1 E-1.8 F2700
M204 P2000 T3000
M104 S0
M140 S0
G90
{{# part.top + 30 <= reach.top }}
G1 Z{{ part.top + 30 }} F1500
G1 X200 Y414 F15000
{{/}}
M84
M107
