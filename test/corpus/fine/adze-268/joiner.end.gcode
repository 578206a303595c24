; G91 makes E a step as well here
M104 S0
M140 S0
G91
G1 E-0.9 F2700
G1 Z9 F900          ; 238 is the highest that the jobs of this shop are: the cupboard above it ends there
G1 E-1.2 F2700
G90
G1 X-130 Y118 F9600
M107
M84
