package session

// CodeBadJSON is the code of a refusal of what is no command at all.
const CodeBadJSON = "bad_json"
