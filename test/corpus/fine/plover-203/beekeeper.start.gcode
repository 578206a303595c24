; Plover: home cold, warm both, one stripe along the left edge, away from where the frames are printed.
G21
G90
M82
M107
G28
G1 Z31 F520
M140 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 60 }}
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 X4 Y24 F7100
G1 Z0.28 F480
G1 Y131 E8.6 F1150
G92 E0
G1 Z2.2 F480
