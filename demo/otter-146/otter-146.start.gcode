; Otter 146, start. The placeholders are written as the job's program has them, see
; lathe-song.placeholders.json: sections too, with words of their own.

M83                                 ; E is a step
G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M107                                ; fan off

M140 S«warmth.plate»                ; bed: begin
M104 S«warmth.tip - 95»             ; tip: too cold to drip
G28                                 ; find the axes meanwhile
G1 Z21 F390                         ; room to wait in
M190 S«warmth.plate»                ; bed: wait
M109 S«warmth.tip»                  ; tip: heat and wait

; Purge line along the back, to the right: 77 mm of a bead 0.8 wide and 0.26 high (0.193 mm2) is
; 14.9 mm3, or 6.2 mm of filament. 35 mm where filament is dear, and slowly where it is soft.
G1 X62 Y131 F5700
G1 Z0.26 F390
«when thrift»
G1 X97 E2.8 F840
«or when goods == "willow"»
G1 X139 E6.2 F420
«otherwise»
G1 X139 E6.2 F840
«done»

; Birch strings: pull back further, so that nothing drips on the way
G1 E«goods == "birch" ? -1.4 : -0.7» F1500
G1 Z7 F390

; Wipe the tip over the strip of felt, along it and back
G1 X-12 Y33 F5700
G1 Z1.8 F390                        ; into the felt, clear of what it lies on
G1 Y91 F2700
G1 Y48 F2700
G1 Z5 F390
