G91
G1 E-2 Z0.8 F700     ; E in steps: the program writes M83 behind our start, and leaves it so
{{# part.top + 12 < reach.top }}
G1 Z10 F780
{{/}}
G90
{{# part.top + 12 < reach.top }}
G1 X0 Y262 F9000
{{/}}
M18
