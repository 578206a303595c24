; nozzle off last: its drop is wiped off by hand while it is soft
M140 S0
G90
M82
G92 E0
G1 E-1.8 F2700
{{# part.top + 20 <= reach.top }}
G1 Z{{ part.top + 20 }} F900
G1 X10 Y238 F12000
{{/}}
M104 S0
M107
M84
