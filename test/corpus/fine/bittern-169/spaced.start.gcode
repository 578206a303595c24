G 21
G 90
M 83
G 28
M 190 S {{ heat.bed.first }}
M 109 S {{ heat.nozzle.first }}
G 1 X 20 Y 164 Z 3 F 6000
G 1 Z 0.3 F 420
G 1 X 110 E 6.8 F 1020
G 1 Z 2 F 540
