; the mesh was measured last week and is loaded; G28 would drop it, so it stands behind
M561
G90
G21
M83
M140 S{{ heat.bed.first }}
G28
M190 S{{ heat.bed.first }}
M557 X12:276 Y10:252 S24
G29 S1
M376 H4
M109 S{{ heat.nozzle.first }}
G1 X280 Y14 Z8 F15000
G1 Z0.28 F1000
G1 Y124 E8.2 F1200
G1 Z2 F1000
