; Ten minutes at heat before anything is measured
G21
G90
M83
G28
G1 X160 Y150 Z90 F1080
M190 S{{ heat.bed.first }}
{{# heat.chamber > 0 }}
M141 S{{ heat.chamber }}
M117 soaking
G4 P600000
M191 S{{ heat.chamber }}
{{/}}
M109 S{{ heat.nozzle.first }}
G1 X331 Y20 F15000
G1 Z0.3 F900
G1 Y170 E11.6 F1200
G1 E-0.4 F2400
G1 Z1.2 F900
G1 X326 F9000
G1 E0.4 F2400
