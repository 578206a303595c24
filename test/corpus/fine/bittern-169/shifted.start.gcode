; the stripe is written from its own corner, then the shift is taken back
G90
G21
M83
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G1 X10 Y8 Z4 F6000
G92 X0 Y0
G1 Z0.3 F420
G1 X90 E6.8 F1000
G1 Z2 F540
G1 X0
G92 X10 Y8
