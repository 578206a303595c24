M104 S0
M140 S0
G10
G90
{{# part.top + 8 <= reach.top }}
G1 Z{{ part.top + 8 }} F1500
G1 X-10 Y410 F21000
{{/}}
M107
M84
