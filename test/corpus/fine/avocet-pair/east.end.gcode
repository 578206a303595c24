M104 S0
M140 S0
M83
G1 E-1.8 F2100
G90
{{# part.top + 8 <= reach.top }}
G1 Z{{ part.top + 8 }} F600
G1 X236 Y224 F7800
{{/}}
M107
M84
