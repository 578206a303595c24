; the operator's presets are set to what this job needs, so that the display shows the right ones
M145 S0 H{{ heat.nozzle.first }} B{{ heat.bed.first }}
M413 S1
G90
M82
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G28 O
M420 S1
G92 E0
G1 X6 Y218 Z3 F8400
G1 Z0.32 F720
G1 X98 E7.2 F1020
G92 E0
G1 Z2.4 F900
