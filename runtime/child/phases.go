package child

import (
	"io/fs"

	"lapwright/runtime/check"
	"lapwright/runtime/interp"
	"lapwright/runtime/lower"
	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
)

// phases is the engine: check, lower, interpret.
func phases(o order, r *recipe.Recipe, folder fs.FS, t *teller) []document.Fault {
	checked, faults := check.Check(r)
	if len(faults) > 0 {
		return faults
	}
	program, faults := lower.Lower(checked)
	if len(faults) > 0 {
		return faults
	}
	host.Begin(host.Run{
		Folder:  folder,
		Inputs:  o.Inputs,
		Declare: t.declare,
		Emit:    t.show,
	})
	fault := interp.Run(program, interp.Options{
		Out:    t,
		Steps:  o.Limits.Steps,
		Depth:  o.Limits.Depth,
		OnPart: func(i int) { t.tell(event{Enter: &i}) },
		Stop:   &t.stopped,
	})
	if fault != nil {
		return []document.Fault{*fault}
	}
	return nil
}
