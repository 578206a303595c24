{{# layer.number == 2 }}
M104 S{{ heat.nozzle.later }}
M106 S200
{{/}}
