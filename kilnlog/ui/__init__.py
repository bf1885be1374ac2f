"""What the operator sees and types. Only this floor knows Qt."""
