"""What is printed and handed over: asked for here, written on the worker, shown by the system's viewer."""
