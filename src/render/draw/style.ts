/** The looks of every mark, by class. Widths in millimetres. */

import { SIZES } from './name-box.ts';
import type { Palette } from './palette.ts';
import { SHELL } from './wall-body.ts';

export const TITLE_SIZE = 5.2;
export const SUBTITLE_SIZE = 2.9;

export const style = (palette: Palette): string =>
  [...plan(palette), ...sound(palette), ...writing(palette)].join('\n');

function plan(p: Palette): string[] {
  return [
    `text{font-family:sans-serif;fill:${p.ink};unicode-bidi:isolate}`,
    `.paper{fill:${p.paper}}.floor,.hole{fill:${p.floor}}`,
    `.shell{fill:${p.wall};stroke:${p.wall};stroke-width:${2 * SHELL};stroke-linejoin:miter}.wall{fill:${p.wall}}`,
    `.jamb,.sill,.lintel,.leaf,.pane,.swing{fill:none;stroke:${p.ink};stroke-width:0.25}`,
    `.leaf{stroke-width:0.7}.pane{stroke-width:0.4}.swing{stroke-dasharray:0.6 0.6}.lintel{stroke-dasharray:1.2 0.8}`,
    `.screen{fill:${p.screen}}.foot{stroke:${p.screen};stroke-width:0.5;stroke-linecap:round}`,
    `.section,.cabinet{fill:${p.source};fill-opacity:0.1;stroke:${p.source};stroke-width:0.3}`,
    `.disc{fill:${p.source};fill-opacity:0.14;stroke:${p.source};stroke-width:0.25}.centre{fill:${p.source}}`,
    `.axis{stroke:${p.source};stroke-width:0.35;stroke-linecap:round}`,
    `.body,.rest{stroke:${p.source};stroke-width:0.4;stroke-linejoin:round;stroke-linecap:round;fill:${p.floor}}`,
    `.stands{fill:${p.source}}.rest{fill:none;stroke-width:0.55}.listens{stroke-dasharray:0.8 0.6}`,
    `.pattern{fill:${p.mic};fill-opacity:0.16;stroke:${p.mic};stroke-width:0.3}`,
    `.pair{stroke:${p.mic};stroke-width:0.5}.aim{fill:none;stroke:${p.mic};stroke-width:0.3;stroke-linecap:round}`,
    `.capsule{fill:${p.mic};stroke:${p.floor};stroke-width:0.2}.aside{opacity:0.55}`,
  ];
}

function sound(p: Palette): string[] {
  return [
    `.way{fill:none;stroke-linejoin:round}.way.plain{stroke:${p.ink}}.way.short{stroke:${p.short}}`,
    `.way.marginal{stroke:${p.marginal};stroke-dasharray:2.6 1.3}`,
    `.way.clear{stroke:${p.clear};stroke-dasharray:0.7 1}.way.own{stroke:${p.source};stroke-dasharray:5 0.9 0.9 0.9}`,
    `.barb.short{fill:${p.short}}.barb.marginal{fill:${p.marginal}}.barb.clear{fill:${p.clear}}.barb.own{fill:${p.source}}`,
    `.level{stroke:${p.ink};stroke-width:0.12;stroke-opacity:0.55}`,
    ...p.levels.map((fill, i) => `.shade-${i}{fill:${fill}}`),
  ];
}

function writing(p: Palette): string[] {
  return [
    `.leader{stroke:${p.faint};stroke-width:0.18;fill:none}`,
    `.label{text-anchor:middle;font-size:${SIZES.name}px;stroke:${p.floor};stroke-width:0.55;paint-order:stroke;stroke-linejoin:round}`,
    `.label.player,.label.source{font-weight:600}.label.room{letter-spacing:0.12px;fill:${p.faint};font-weight:600}`,
    `.label.wall,.label.faint{fill:${p.faint}}.label.small{font-size:${SIZES.note}px;font-weight:400}`,
    `.title{font-size:${TITLE_SIZE}px;font-weight:700}.subtitle{font-size:${SUBTITLE_SIZE}px;fill:${p.faint}}`,
    `.heading{font-size:2.5px;font-weight:700;fill:${p.faint};letter-spacing:0.15px}.entry{font-size:2.5px}`,
    `.rule{stroke:${p.faint};stroke-width:0.2}.north{fill:${p.ink}}.bar-dark{fill:${p.ink}}`,
    `.bar-light{fill:${p.floor};stroke:${p.ink};stroke-width:0.2}`,
  ];
}
