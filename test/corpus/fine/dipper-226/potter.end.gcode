M83
G1 E-1.3 F2700
all_cold
G90
{{# part.top + 6 <= reach.top }}
G1 Z{{ part.top + 6 }} F900
G1 X0 Y236 F15000
{{/}}
M84
