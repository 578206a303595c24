G28 ; up
M190 S{{ heat.bed.first }} ; bed
M109 S{{ heat.nozzle.first }} ; tip
G90
M83
G1 X-62 Y-34 Z12 F8400
G1 Z0.32 F1500
G1 X-68 Y20 E5.1 F1100 ; two chords of the rim, on the left
G1 X-40 Y58 E4.4
G1 Z7 F1500
