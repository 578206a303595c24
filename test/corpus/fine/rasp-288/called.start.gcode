; the machine's own file homes, measures and cleans the tip; it ends behind the bed, in G90 and M83
M140 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 65 }}
M98 P"/routines/ready.g"
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G1 X20 Y3 Z5 F15000
G1 Z0.32 F1000
G1 X128 E9.1 F1200
G1 Z2 F1000
