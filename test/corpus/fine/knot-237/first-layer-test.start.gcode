; G26 draws its test pattern with the heats that it is given, and cleans up behind itself
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G28
G29
G26 B{{ heat.bed.first }} H{{ heat.nozzle.first }} R1
G90
M83
G1 X20 Y-6 Z8 F9000
M0 Peel the pattern off
