; The shop is next to a bedroom: slow travels, and no tone.
M204 T900
G90
M83
G21
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 50 }}
G28 X Y
G28 Z
M109 S{{ heat.nozzle.first }}
G1 Z6 F600
G1 X128 Y-52 F4800
G1 Z0.5 F600
G1 Y54 E15 F840
G1 Z2 F600
