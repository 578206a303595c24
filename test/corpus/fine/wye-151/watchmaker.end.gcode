M104 S0
M140 S0
M82
G92 E0
G1 E-3.5 F1800
G28                 ; straight up, away from the part
M107
M84
