package vector

func setFast(with bool) { fast = with }
