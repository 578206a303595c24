M83
G90
{{# heat.bed.first > 0 }}
M190 R{{ heat.bed.first }}     ; waits also where a job before has left it hotter
{{/}}
M109 R{{ heat.nozzle.first }}
G28
G1 X338 Y330 Z4 F15000
G1 Z0.3 F900
G1 Y236 E7.4 F1260
G1 Z1.5 F1200
