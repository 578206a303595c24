; Poplar 164, start: runs before the first layer of every job.

; Everything that warms slowly begins at once
M141 S{{ heat.chamber }}            ; chamber: begin; 0 where the job does not ask for it
M140 S{{ heat.bed.first }}          ; bed: begin
M107                                ; fan off

; How numbers are read
G90                                 ; X Y Z are places
M83                                 ; E is a step
G21                                 ; lengths in mm

; Home meanwhile, and leave the nozzle high above the warm air of the bed
G28
G1 Z46 F510

; Wait, from the slowest to the quickest
M190 S{{ heat.bed.first }}
M191 S{{ heat.chamber }}
{{# heat.bed.first > 0 }}
warm-through minutes:4              ; a tall part needs a plate that is warm to its edges
{{/}}
M109 S{{ heat.nozzle.first }}
sweep-tip                           ; hot, so that what hangs on it comes off

; Purge line on the right, coming forward, away from the camera post.
; 98 mm of a bead 1 wide and 0.38 high (0.349 mm2) is 34.2 mm3, or 14.2 mm of filament.
G1 X155 Y112 F7500                  ; as high as the brush left it
G1 Z0.38 F510
G1 Y14 E14.2 F780                   ; 13 mm/s: 4.5 mm3/s

; Hand over
G1 E-1.1 F1620
G1 Z3.5 F510
