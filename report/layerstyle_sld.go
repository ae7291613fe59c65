package report

import (
	"fmt"
	"strings"
)

// sld is the drawing as a Styled Layer Descriptor, for programs that read no other.
//
// Source: OGC 02-070 (Styled Layer Descriptor 1.0).
func (d *layerDrawing) sld(layer string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<StyledLayerDescriptor xmlns="http://www.opengis.net/sld" xmlns:ogc="http://www.opengis.net/ogc" version="1.0.0"><NamedLayer><Name>%s</Name><UserStyle><FeatureTypeStyle>`, layer)
	for i := range d.rules {
		rule := &d.rules[i]
		if rule.filter == closedDecision { // rules of this form cannot keep others from drawing the same
			continue
		}
		fmt.Fprintf(&b, "\n<Rule><Name>%s</Name>", rule.label)
		switch {
		case rule.filter.column != "" && rule.filter.text == "":
			fmt.Fprintf(&b, "<ogc:Filter><ogc:PropertyIsNull><ogc:PropertyName>%s</ogc:PropertyName></ogc:PropertyIsNull></ogc:Filter>", rule.filter.column)
		case rule.filter != filter{}:
			fmt.Fprintf(&b, "<ogc:Filter><ogc:PropertyIsEqualTo><ogc:PropertyName>%s</ogc:PropertyName><ogc:Literal>%s</ogc:Literal></ogc:PropertyIsEqualTo></ogc:Filter>", rule.filter.column, rule.filter.text)
		}
		stroke := func(color string, width float64) string {
			return fmt.Sprintf(`<Stroke><CssParameter name="stroke">#%s</CssParameter><CssParameter name="stroke-width">%g</CssParameter></Stroke>`, color, width)
		}
		fill := func(color string) string {
			return fmt.Sprintf(`<Fill><CssParameter name="fill">#%s</CssParameter></Fill>`, color)
		}
		switch {
		case rule.mark != nil:
			name, turned := [...]string{"triangle", "square", "circle"}[rule.mark.shape], ""
			if rule.mark.shape == diamond {
				turned = "<Rotation>45</Rotation>"
			}
			fmt.Fprintf(&b, "<PointSymbolizer><Graphic><Mark><WellKnownName>%s</WellKnownName>%s%s</Mark><Size>%g</Size>%s</Graphic></PointSymbolizer>",
				name, fill(rule.mark.fill), stroke(rule.mark.stroke, 1.5), 2*rule.mark.radius, turned)
		case rule.fill != "":
			b.WriteString("<PolygonSymbolizer>" + fill(rule.fill) + stroke(rule.line, 0.8) + "</PolygonSymbolizer>")
		default:
			b.WriteString("<LineSymbolizer>" + stroke(rule.line, 3*rule.width) + "</LineSymbolizer>")
		}
		b.WriteString("</Rule>")
	}
	b.WriteString("\n</FeatureTypeStyle></UserStyle></NamedLayer></StyledLayerDescriptor>\n")
	return b.String()
}
