package calc

func kindsBend() []Kind { return nil }
