M83
G1 E-1.3 F2400
G90
{{# part.top + 20 <= reach.top }}
G1 Z{{ part.top + 20 }} F900
G1 X0 Y228 F9000
{{/}}
M104 S0
M140 S0
M107
M0 Take it off
M808
