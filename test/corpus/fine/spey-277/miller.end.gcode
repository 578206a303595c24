; what is warm is turned off by the program, right behind this
M83
G1 E-1.7 F2400
G90
{{# part.top + 10 <= reach.top }}
G1 Z{{ part.top + 10 }} F780
G1 X-6 Y266 F9000
{{/}}
M107
