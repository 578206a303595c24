M117 Layer {{ layer.number }} of {{ layer.count }}
{{# layer.number == 2 }}
M104 S{{ heat.nozzle.later }}
M140 S{{ heat.bed.later }}
{{/}}
