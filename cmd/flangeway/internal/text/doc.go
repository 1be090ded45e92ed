// Package text prints a judged survey for a person: 80 columns of ASCII (but for
// names, which stay as typed), or markdown. It takes values and computes nothing.
package text
