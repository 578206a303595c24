M104 S0
M140 S0
G90
M83
G1 E-1.8 F1800
{{# part.top + 10 <= reach.top }}
G1 Z{{ part.top + 10 }} F480
G1 X{{ bed.left + 2 }} Y{{ bed.back - 2 }} F6000
{{/}}
M107
M84
