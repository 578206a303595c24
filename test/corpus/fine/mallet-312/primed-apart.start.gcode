; Every tool that the job uses primes itself, each along its own stretch of the front edge
M140 S{{ heat.bed.first }}
G90
G21
M82
G28
M190 S{{ heat.bed.first }}
{{# tools }}
T{{ number }}
M109 S{{ temperature.first }}
G92 E0
G1 X{{ 12 + 74 * number }} Y4 F12000
G1 Z0.35 F1200
G1 X{{ 72 + 74 * number }} E5.2 F1080
G1 E3.2 F2700       ; they wait in the rack pulled back by 2
G1 Z4 F1200
{{/ tools }}
T{{ tool.first }}
G92 E0
G1 E2 F2700
G92 E0
