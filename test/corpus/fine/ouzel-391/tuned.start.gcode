; accelerations first: what the job before has left is not known
M204 P3200 T6000
M201 X9800 Y9800 Z600
M220 S100
M221 S100
M900 K0.03
G21
G90
M83
M190 S{{ heat.bed.first }}
M104 S170
G28
M109 S{{ heat.nozzle.first }}
G1 X6 Y400 Z6 F18000
G1 Z0.55 F1200
G1 X176 E44 F1440
G1 Z3 F1500
