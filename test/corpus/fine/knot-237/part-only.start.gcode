; measures only where the part will stand
G21
G90
M83
M555 X{{ part.left }} Y{{ part.front }} W{{ part.right - part.left }} H{{ part.back - part.front }}
M190 S{{ heat.bed.first }}
M104 S160
G28
G29
M109 S{{ heat.nozzle.first }}
G1 X230 Y6 Z5 F9600
G1 Z0.28 F720
G1 X140 E6.6 F1200
G1 Z2 F900
