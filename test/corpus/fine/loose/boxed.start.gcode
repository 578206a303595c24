;+----------------------------------+
;|  START   filament: PLA, dry      |
;|  bed 56, tip 207, layer 0.2      |
;+----------------------------------+
G21
G90
M82
M107
M190 S56
M109 S207
G28
;
; --- one line, 5 mm from the edge ---
;
G92 E0
G1 Z4 F420
G1 X10 Y5 F4800
G1 Z.3 F300
G1 X85 E5.6 F900
G92 E0
G1 Z2 F420
