M140 S0
M104 S0
G91
M83
G1 E-1.2 F1800
G1 Z2 F480             ; goblins are 70 high at most
G90
G1 X-1 Y160 F6000
M107
M84
