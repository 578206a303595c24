; A good spit into the bin, then up and over
G90
M82
G21
M140 S{{ heat.bed.first }}
G28
G1 Z20 F840
G1 X272 Y-3 F10800
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 E28 F180            ; it falls 20 mm, so it curls down instead of up round the tip
G1 E26.8 F2400
G92 E0
G4 P1500
G1 X240 Y8 F12000
G1 Z0.3 F840
G1 E1.2 F2400
G1 X150 E7.2 F1140
G92 E0
G1 Z2.4 F840
