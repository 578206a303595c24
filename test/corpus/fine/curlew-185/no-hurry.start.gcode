; All in one go, the slowest first, and no stripe: the jobs have a skirt of three rounds.
M107
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G21
G28
G90
M82
G92 E0
G1 Z8 F330
