"""Pictures of boards and steps, drawn from the plan."""
