(Rasp 288: several on a line)
G21 G90 M83
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G1 X4 Y20 Z6 F15000
G1 Z0.3 F1000
G1 Y120 E7.8 F1200 (left edge)
G1 Z2 F1000
