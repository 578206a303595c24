M104 S0
M140 S0
M107
G90
M82
G92 E0
G1 E-1.8 F1980
‹should peak + 5 <= reach.top›
G1 Z‹peak + 5› F600
G1 X0 Y204 F7500
‹so be it›
M84
