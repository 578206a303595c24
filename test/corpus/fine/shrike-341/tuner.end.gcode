M400
M83
G1 E-1.1 F2700
G91
G1 X-1.2 Y1.2 F6000      ; a short wipe over the line that was printed last
G90
{{# part.top + 6 <= reach.top }}
G1 Z{{ part.top + 6 }} F1200
G1 X5 Y340 F18000
{{/}}
M104 S0
M140 S0
M107
M204 P3000 R3000 T5000
M84
