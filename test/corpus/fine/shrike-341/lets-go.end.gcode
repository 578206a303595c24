M104 S0
M83
G1 E-1.3 F2700
G90
{{# part.top + 15 <= reach.top }}
G1 Z{{ part.top + 15 }} F1200
G28 X Y
{{/}}
M190 R42                 ; cooling: below that it lets go
M140 S0
M117 Take it off
M84
