M104 S0
M140 S0
M83
G1 E-1.6 F2400
G90
{{# part.top + 7 <= reach.top }}
G1 Z{{ part.top + 7 }} F840
G1 X-20 Y232 F9000     ; over the brush
{{/}}
M107
M84
