package paper

import (
	"errors"
	"fmt"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/track"
)

// maxSmall is how many drawings stand on their sheet.
const maxSmall = 6

// Tiled are drawings beside one another, all of one width, so that a kind has one scale.
type Tiled []Drawing

func (Tiled) block() {}

// smallDrawings are the worst pairs of the places where the plan works, in its order; nil if none can be drawn.
func (c *checkPage) smallDrawings(in ReportInput) *Section {
	at := map[*track.Feature][]*judge.Finding{}
	for _, l := range c.places {
		for _, f := range l.Findings {
			if f.Verdict == interaction.Conflict {
				at[f.Feature] = append(at[f.Feature], f)
			}
		}
	}
	s := &Section{ID: "drawn", Title: "What hits, drawn"}
	var tiles Tiled
	for _, x := range in.Ranked {
		if x.Ends == 0 || len(tiles) == maxSmall {
			continue
		}
		for _, f := range explained(at[x.Feature]) {
			svg, err := draw.Draw(PairDrawing(c.e, f, fmt.Sprintf("small-%d", len(tiles)+1)))
			if errors.Is(err, draw.ErrNotRead) {
				continue
			}
			if err != nil {
				s.add(Later(func() (*Section, error) { return nil, err }))
				return s
			}
			tiles = append(tiles, Drawing{SVG: svg})
			break
		}
	}
	if len(tiles) == 0 {
		return nil
	}
	s.add(tiles)
	return s
}
