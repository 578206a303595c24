G91                          ; on this controller about E, too
G1 E-0.9 F2100
G90
{{# part.top + 25 <= reach.top }}
G1 Z{{ part.top + 25 }} F900
G1 X20 Y10 F12000
{{/}}
M104 S0
M140 S0
M106 S255                    ; the tip is cooled while the chamber stays shut
G4 P120000
M107
M141 S0
M84 X Y
