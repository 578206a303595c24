; E is not put to 0 at the end: the program does it in its first line
G90
M82
G28
G92 E0
G1 X30 Y258 Z6 F9000
G1 Z0.28 F600
G1 X125 E7.2 F1080
G1 Z3 F780
