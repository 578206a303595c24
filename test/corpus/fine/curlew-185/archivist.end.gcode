(off, back, up, away)
M104 S0
M140 S0
M82
G92 E0
G1 E-5.5 F1200
G91
G1 Z3 F330          ; the archive boxes end at 150
G90
G1 X0 Y170 F5400
M107
M84
