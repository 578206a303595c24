G92 E0 ; from here
M82
G1 E-1.5 F1800 ; back
M104 S0 ; tip off
M140 S0 ; bed off
G90
G1 Z{{ min(part.top + 4, reach.top) }} F480 ; up
{{# part.top + 1 <= reach.top }}
G1 X0 Y164 F5400 ; away
{{/}}
M106 S0 ; fan off
M84 ; loose
