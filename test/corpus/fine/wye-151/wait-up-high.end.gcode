G91
M83
G1 E-3 Z1.2 F1500   ; back and up at the same time
G90
M104 S0
M140 S0
G28
M84
M107
