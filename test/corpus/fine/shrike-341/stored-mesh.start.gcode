; no measuring at each job: the mesh of Sunday is loaded, behind G28, which forgets it
M501
G21
G90
M82
M140 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 70 }}
G28
M420 L1 S1
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G0 X12 Y-3 Z6 F18000
G0 X12 Y4 F9000
G0 Z0.35 F1200
G1 X140 E10.4 F1380
G92 E0
G0 Z4 F1200
