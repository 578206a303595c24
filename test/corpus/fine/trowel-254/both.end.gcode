M104 S0
M140 S0
M106 S0
G91
M83
G1 E-1.5 F2400
G1 Z8 F840             ; no more than 230 is ever built here: the lamp hangs at 240
G90
G1 X270 Y-8 F9600
M84
