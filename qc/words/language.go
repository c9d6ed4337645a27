package words

import "fmt"

// Language says findings in one tongue.
type Language struct {
	says map[Code]func(Language, Finding) string
}

// saying is how one kind of finding is said.
type saying struct {
	sample Finding
	say    func(Language, Finding) string
}

// say ties a kind of finding to its sentence.
func say[F Finding](as func(F) string) saying {
	return sayWith(func(_ Language, f F) string { return as(f) })
}

// sayWith is say for a finding that holds another.
func sayWith[F Finding](as func(Language, F) string) saying {
	var none F
	return saying{none, func(l Language, f Finding) string { return as(l, f.(F)) }}
}

// fixed is a finding without arguments, which is said in one way.
func fixed[F Finding](text string) saying { return say(func(F) string { return text }) }

// language gathers the sentences of all families.
func language(families [][]saying) Language {
	l := Language{map[Code]func(Language, Finding) string{}}
	for _, family := range families {
		for _, s := range family {
			l.says[s.sample.Code()] = s.say
		}
	}
	return l
}

// Say is the finding in words; none is nothing. What the language has no words for is shown by its code and
// its arguments.
func (l Language) Say(f Finding) string {
	switch f := f.(type) {
	case nil:
		return ""
	case Prose:
		return f.Text
	case Unknown:
		if f.Args == "" {
			return string(f.Named)
		}
		return fmt.Sprintf("%s (%s)", f.Named, f.Args)
	}
	if say, ok := l.says[f.Code()]; ok {
		return say(l, f)
	}
	return fmt.Sprintf("%s (%+v)", f.Code(), f)
}
