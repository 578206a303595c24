; the whole beginning is a routine of the machine
morning plate={{ heat.bed.first }} tip={{ heat.nozzle.first }}
G90
M83
M117 {{ job.name }}
