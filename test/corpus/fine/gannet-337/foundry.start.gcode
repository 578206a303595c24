; Gannet: the chamber takes longest, so it begins; the tip comes last.
G21
G90
M83
M141 S{{ heat.chamber }}
M140 S{{ heat.bed.first }}
M106 S0
G28
G1 Z60 F1000                 ; bed down, so that the air goes round it
M190 S{{ heat.bed.first }}
M191 S{{ heat.chamber }}
M104 S150
G28 Z                        ; once more, now that all has grown with the heat
G29
M109 S{{ heat.nozzle.first }}
G0 X6 Y14 F18000
G0 Z0.3 F1000
G1 Y128 E8.1 F1320
G1 X6.8 F1320
G1 Y40 E5.2 F1320
G0 Z2 F1000
