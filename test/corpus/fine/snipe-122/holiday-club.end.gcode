M104 S0
M107
M82
G92 E0
G1 E-3 F1500
G91
G1 Z4 F280          ; the animals of this list are 90 at most
G90
G28 X0 Y0
M84
