; Severn: 1180 mm of bed take long to warm, so it begins before anything else
M140 S{{ heat.bed.first }}
G21
G90
M83
G28
G1 X2 Y4 Z20 F6000
M190 S{{ heat.bed.first }}
G29
M109 S{{ heat.nozzle.first }}
; the stripe runs where the part begins, not a metre away from it
G1 X{{ bed.left + 5 }} Y{{ min(max(part.front, 4), bed.back - 140) }} F12000
G1 Z0.5 F600
G91
G1 Y120 E22 F1320
G1 Z2.5 F600
G90
