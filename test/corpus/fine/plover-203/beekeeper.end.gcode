; Plover: nothing stays warm, up, and the bed to the front so that it can be taken off
M104 S0
M140 S0
M107
G21
G90
M82
G92 E0
G1 E-1.9 F1800
{{# part.top + 2 <= reach.top }}
G1 Z{{ min(part.top + 11, reach.top) }} F520
G1 X0 Y183 F6600
{{/}}
M84
