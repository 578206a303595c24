; with names, for whoever takes it over
G90
M83
G21
M140 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 50 }}
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G1 X{{ bed.left + 8 }} Y{{ bed.front + 5 }} Z5 F6000
G1 Z0.3 F480
G1 X{{ bed.left + 98 }} E7 F1080
G1 Z2 F480
