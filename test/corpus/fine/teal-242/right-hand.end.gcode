M82
G92 E0
G1 E-2 F2400
G90
M104 T0 S0
M104 T1 S0
M140 S0
G1 Z{{ min(part.top + 8, reach.top) }} F720
; our jobs end at 200, so there is room for the 8 mm
G1 X0 Y210 F7200
M107
M84
