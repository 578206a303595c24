; the program pulls back before a pause, and after it goes back to X, Y and Z and pushes again
G90
{{# layer.top + 20 <= reach.top }}
G1 Z{{ layer.top + 20 }} F780
G1 X-8 Y264 F9000
{{/}}
M0 look inside
